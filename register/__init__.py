"""What exists: items, products, places, people, custody, tags and the ledger."""
