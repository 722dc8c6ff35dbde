"""How much of a mix a farm carries every week: linear bound, steady week of whole units, whole season."""
