"""Use case: somebody without an account sees what an owner shares of a rig, and what of it holds."""
