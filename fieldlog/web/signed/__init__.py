"""Use case: an owner signs the record of a rig, after seeing what another reader will see of it."""
