"""Pictures: standing and crawling."""
