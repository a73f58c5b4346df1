"""What people hold in their hands: drawings and sheets, made from a plan."""
