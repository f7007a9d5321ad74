"""The terminal device, alone and at the end of an arm."""
