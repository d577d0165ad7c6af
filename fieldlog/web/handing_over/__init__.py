"""Use case: a rig goes to its next owner on the same server, with its whole log."""
