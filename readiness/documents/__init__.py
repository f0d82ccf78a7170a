"""Papers and pictures of readiness: read, drawn, never changed here."""
