"""The pack of a site: what a phone carries to work without signal."""
