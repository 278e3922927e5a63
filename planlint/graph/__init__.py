"""A Plan becomes components and terminals, and these become circuits, reaches, protection and design currents."""
