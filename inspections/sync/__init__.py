"""Taking in what phones wrote without signal, through the same acts as every page."""
