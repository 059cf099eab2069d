"""What tests share: how a command is run, and the like. No test stands here."""
