"""Why she corrodes, and old patches."""
