"""What a rule may ask about a plan, one module a subject; every answer is computed once."""
