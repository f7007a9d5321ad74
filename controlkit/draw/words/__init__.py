"""The words: titles, labels and sentences that say what a picture shows, in the reader's units."""
