"""What is worn: webbing, ring and buckles, pad and hinges, socket, cable and housing, laid out in space."""
