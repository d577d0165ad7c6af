"""A rig's map on the phone."""
