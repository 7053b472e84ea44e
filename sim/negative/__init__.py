"""What is in the carrier: scene luminance, camera, film, silver density, stain, grain and frame."""
