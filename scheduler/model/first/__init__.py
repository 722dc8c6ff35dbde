"""First plans: by hand, delivery by delivery, and a steady cycle laid over the season."""
