"""What people fill in about readiness: fields and choices, and no rule that an action has."""
