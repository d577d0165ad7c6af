"""Use case: an owner shares a rig's record, sees who opened it, and ends that."""
