"""YAML text becomes plain data with a place for every value; what is wrong is told in plain words."""
