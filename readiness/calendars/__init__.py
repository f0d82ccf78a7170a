"""What calendar feeds tell of cover that lapses, and all that one feed tells together."""
