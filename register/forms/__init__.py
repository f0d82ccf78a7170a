"""The forms of the register's pages: fields and choices, and no rule that an action has."""
