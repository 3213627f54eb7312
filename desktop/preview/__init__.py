"""The lesson as pages on the screen: which drawings are current, where pages lie, and the view that shows them."""
