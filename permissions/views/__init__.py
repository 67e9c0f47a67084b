"""Pages about land: sites, landholders, permissions, consents and the question to the gate."""
