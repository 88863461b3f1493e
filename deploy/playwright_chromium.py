"""Prints where Playwright keeps the Chromium that it downloaded."""

from playwright.sync_api import sync_playwright

with sync_playwright() as playwright:
    print(playwright.chromium.executable_path)
