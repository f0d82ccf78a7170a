"""Can we get them down, today? Tasks, plans, competence and rescue cover."""
