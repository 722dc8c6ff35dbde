"""The validated farm: frozen objects in growers' words, without files and without a solver."""
