"""What `import checker` offers to other programs. `checker` itself hands it on and stays light to import."""
