"""Plain data becomes a frozen, typed Plan; quantities carry their units."""
