"""What other systems read of rescue cover, and what if."""
