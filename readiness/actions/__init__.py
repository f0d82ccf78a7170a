"""Every change to tasks, plans, people on the rota and what kits can do."""
