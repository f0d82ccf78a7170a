"""What calendar feeds tell of visits, of what falls due, and of hires that end."""
