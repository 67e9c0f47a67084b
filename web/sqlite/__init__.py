"""Django's SQLite backend with a queue of writers: `ENGINE = "web.sqlite"`."""
