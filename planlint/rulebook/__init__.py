"""Rule files become compiled rules; rules meet facts; findings remain."""
