"""Running all of it on one machine: store, workers and service, started, watched and stopped in order."""
