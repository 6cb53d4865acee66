// A number of twice the digits of a double, as the sum of two: the same on every machine, whatever its
// `long double` holds (64, 80 or 128 bits).
//
// Sums and products without loss by Knuth and Dekker (T. J. Dekker, "A floating-point technique for extending the
// available precision", 1971, memory); about 31 decimal digits. Not for infinities: what overflows becomes NaN.
#pragma once
#include <Eigen/Core>
#include <cmath>
#include <limits>

namespace loomward {

struct WideDouble {
    double high = 0;
    double low = 0;  // at most half of the last digit of `high`

    constexpr WideDouble() = default;
    constexpr WideDouble(double value) : high(value) {}  // exact
    constexpr WideDouble(int value) : high(value) {}
    constexpr WideDouble(double first, double second) : high(first), low(second) {}
    explicit constexpr operator double() const { return high + low; }

    WideDouble operator-() const { return {-high, -low}; }
    friend WideDouble operator+(WideDouble a, WideDouble b) {
        const WideDouble highs = whole_sum(a.high, b.high), lows = whole_sum(a.low, b.low);
        const WideDouble sum = short_sum(highs.high, highs.low + lows.high);
        return short_sum(sum.high, sum.low + lows.low);
    }
    friend WideDouble operator-(WideDouble a, WideDouble b) { return a + -b; }
    friend WideDouble operator*(WideDouble a, WideDouble b) {
        const double product = a.high * b.high;
        const double lost = std::fma(a.high, b.high, -product);
        return short_sum(product, lost + (a.high * b.low + a.low * b.high));
    }
    friend WideDouble operator/(WideDouble a, WideDouble b) {
        const double first = a.high / b.high;
        const WideDouble rest = a - b * WideDouble(first);
        const double second = rest.high / b.high;
        const WideDouble last = rest - b * WideDouble(second);
        return short_sum(first, second) + WideDouble(last.high / b.high);
    }
    WideDouble& operator+=(WideDouble other) { return *this = *this + other; }
    WideDouble& operator-=(WideDouble other) { return *this = *this - other; }
    WideDouble& operator*=(WideDouble other) { return *this = *this * other; }
    WideDouble& operator/=(WideDouble other) { return *this = *this / other; }

    friend bool operator==(WideDouble a, WideDouble b) { return a.high == b.high && a.low == b.low; }
    friend bool operator!=(WideDouble a, WideDouble b) { return !(a == b); }
    friend bool operator<(WideDouble a, WideDouble b) {
        return a.high < b.high || (a.high == b.high && a.low < b.low);
    }
    friend bool operator>(WideDouble a, WideDouble b) { return b < a; }
    friend bool operator<=(WideDouble a, WideDouble b) { return a < b || a == b; }
    friend bool operator>=(WideDouble a, WideDouble b) { return b <= a; }

  private:
    // Exact, whatever the sizes.
    static WideDouble whole_sum(double a, double b) {
        const double sum = a + b;
        const double from_b = sum - a;
        return {sum, (a - (sum - from_b)) + (b - from_b)};
    }
    // Exact where a is no smaller than b.
    static WideDouble short_sum(double a, double b) {
        const double sum = a + b;
        return {sum, b - (sum - a)};
    }
};

inline WideDouble abs(WideDouble value) {
    return value.high < 0 || (value.high == 0 && value.low < 0) ? -value : value;
}
inline WideDouble sqrt(WideDouble value) {
    if (!(value.high > 0)) return WideDouble(std::sqrt(value.high));
    const WideDouble root(std::sqrt(value.high));
    return (root + value / root) * WideDouble(0.5);
}
inline bool isfinite(WideDouble value) {
    return std::isfinite(value.high) && std::isfinite(value.low);
}

}  // namespace loomward

template <>
class std::numeric_limits<loomward::WideDouble> : public std::numeric_limits<double> {
  public:
    static constexpr int digits = 104;
    static constexpr int digits10 = 31;
    static constexpr loomward::WideDouble epsilon() noexcept { return {0x1p-104}; }
};

template <>
struct Eigen::NumTraits<loomward::WideDouble> : Eigen::GenericNumTraits<loomward::WideDouble> {
    enum { IsComplex = 0, IsInteger = 0, IsSigned = 1, RequireInitialization = 0, ReadCost = 2, AddCost = 20, MulCost = 12 };
    static Real epsilon() { return std::numeric_limits<loomward::WideDouble>::epsilon(); }
    static Real dummy_precision() { return Real(1e-28); }
    static int digits10() { return 31; }
};
