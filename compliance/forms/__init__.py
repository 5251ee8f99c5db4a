"""What a packet's documents must carry. Imports facts and base."""
