"""Risk of a plan: it is replayed under chance losses and slow weeks, and deliveries get their chances."""
