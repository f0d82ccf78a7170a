"""What a page shows of rescue cover: computed when it is read, never stored."""
