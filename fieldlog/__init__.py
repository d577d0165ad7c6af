"""Field checklist and test log for a camping trailer's 120 V wiring."""
