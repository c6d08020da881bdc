"""The plugins that come with fixbook. They use `fixbook.api` alone, as anyone's do."""
