"""The store: what must outlive a process, on SQLite or PostgreSQL; core types in and out."""
