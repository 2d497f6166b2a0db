"""What the format says of itself: schema, forms, rules with their examples, the worked example, drafts."""
