"""Exact algebra: numbers, polynomials, syntax trees and the values an answer can have."""
