"""What works on this checkout: set-up, the test session, the lock files. Never installed."""
