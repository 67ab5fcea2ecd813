"""The articles that come with Standpipe: one Markdown file an answer."""
