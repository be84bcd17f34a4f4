"""Labels printed, and labels read from photos; heavy libraries load only in worker processes."""
