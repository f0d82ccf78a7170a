"""The outbox: what is written is sent, again where it failed, and given up aloud."""
