"""Pictures: a file made safe to keep, kept before its entry, and found again."""
