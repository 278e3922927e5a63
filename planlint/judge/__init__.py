"""One text becomes one Result: the way through the whole house."""
