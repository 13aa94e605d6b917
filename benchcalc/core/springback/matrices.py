"""Vectors and symmetric matrices of three, as plain tuples: enough for a curve of three numbers.

A symmetric matrix is its upper half: (m00, m01, m02, m11, m12, m22). Plain tuples because a bench
judges its bends again after every one, on a small computer and without any library.
"""

Vector = tuple[float, float, float]
Symmetric = tuple[float, float, float, float, float, float]

NO_VECTOR: Vector = (0.0, 0.0, 0.0)
NO_MATRIX: Symmetric = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def dot(u: Vector, v: Vector) -> float:
    """u . v"""
    return u[0] * v[0] + u[1] * v[1] + u[2] * v[2]


def plus(u: Vector, v: Vector, times: float = 1.0) -> Vector:
    """u + times v"""
    return (u[0] + times * v[0], u[1] + times * v[1], u[2] + times * v[2])


def added(m: Symmetric, n: Symmetric, times: float = 1.0) -> Symmetric:
    """M + times N"""
    a, b, c, d, e, f = n
    return (
        m[0] + times * a,
        m[1] + times * b,
        m[2] + times * c,
        m[3] + times * d,
        m[4] + times * e,
        m[5] + times * f,
    )


def apply(m: Symmetric, v: Vector) -> Vector:
    """M v"""
    a, b, c, d, e, f = m
    x, y, z = v
    return (a * x + b * y + c * z, b * x + d * y + e * z, c * x + e * y + f * z)


def outer(v: Vector) -> Symmetric:
    """v v'"""
    x, y, z = v
    return (x * x, x * y, x * z, y * y, y * z, z * z)


def both(u: Vector, v: Vector) -> Symmetric:
    """u v' + v u'"""
    a, b, c = u
    x, y, z = v
    return (2 * a * x, a * y + b * x, a * z + c * x, 2 * b * y, b * z + c * y, 2 * c * z)


def quadratic(m: Symmetric, v: Vector) -> float:
    """v' M v"""
    a, b, c, d, e, f = m
    x, y, z = v
    return x * (a * x + 2 * (b * y + c * z)) + y * (d * y + 2 * e * z) + f * z * z


def diagonal(v: Vector) -> Symmetric:
    """The matrix that has v on its diagonal and nothing beside it."""
    return (v[0], 0.0, 0.0, v[1], 0.0, v[2])


def inverse(m: Symmetric) -> tuple[Symmetric, float]:
    """M^-1 and the determinant of M; M must be positive definite."""
    a, b, c, d, e, f = m
    p, q, r = d * f - e * e, c * e - b * f, b * e - c * d
    det = a * p + b * q + c * r
    s, t, u = a * f - c * c, b * c - a * e, a * d - b * b
    return (p / det, q / det, r / det, s / det, t / det, u / det), det
