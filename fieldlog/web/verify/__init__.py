"""Use case: whoever holds a signed record verifies it, with an account or without."""
