"""What the trade knows: cited tables and pure formulas."""
