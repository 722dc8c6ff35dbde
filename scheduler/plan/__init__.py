"""The result as rows, and the audit that never saw the model."""
