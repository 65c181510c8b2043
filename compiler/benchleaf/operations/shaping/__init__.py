"""What every shaping operation is made of: the stroke and its rate, down-feed and cross-feed in dial terms, the last cut, the grip."""
