"""What other systems read of items and their inspections, and what they may record."""
