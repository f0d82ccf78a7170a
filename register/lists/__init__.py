"""The lists that people take away: which rows the page shows, and what its columns are."""
