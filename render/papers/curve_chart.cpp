#include "render/papers/curve_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace loomward {
namespace {

constexpr double width = 600, height = 380, left = 64, right = 470, top = 14, bottom = 316;
constexpr double least_s = 1e-3, most_s = 1e4;

struct TimeMark {
    double time_s;
    const char* text;
};
constexpr std::array time_marks = {TimeMark{1e-3, "1 ms"},  TimeMark{1e-2, "10 ms"}, TimeMark{0.1, "0.1 s"},
                                   TimeMark{1, "1 s"},      TimeMark{10, "10 s"},    TimeMark{100, "100 s"},
                                   TimeMark{1e3, "17 min"}, TimeMark{1e4, "2.8 h"}};

class Chart {
  public:
    Chart(const DeviceCurve& curve, const Harness& harness, CurveCharts& page)
        : curve_(curve), harness_(harness), page_(page) {
        least_A_ = curve.slow.front().current_A;
        most_A_ = curve.slow.back().current_A;
        for (const auto* edge : {&curve.fast, &curve.slow})
            for (const CurvePoint& point : *edge) {
                least_A_ = std::min(least_A_, point.current_A);
                most_A_ = std::max(most_A_, point.current_A);
            }
        for (const DamageCurve& wire : curve.wires)
            least_A_ = std::min(least_A_, wire.points.front().current_A);
        for (const LoadStep& step : curve.load)
            if (step.current_A > 1e-3) least_A_ = std::min(least_A_, step.current_A / 1.5);
        least_A_ = std::pow(10, std::floor(std::log10(least_A_) + 1e-9));
    }

    std::string svg() {
        grid();
        band();
        for (const DamageCurve& wire : curve_.wires) wire_line(wire);
        load();
        shorts();
        return fmt::format(
            "<svg class=\"chart\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">{}</svg>", width,
            height, Html(label()).markup(), out_);
    }

  private:
    double x(double current_A) const {
        const double share = std::log(current_A / least_A_) / std::log(most_A_ / least_A_);
        return left + std::clamp(share, 0.0, 1.0) * (right - left);
    }
    static double y(double time_s) {
        const double share = std::log(time_s / least_s) / std::log(most_s / least_s);
        return bottom - std::clamp(share, 0.0, 1.0) * (bottom - top);
    }
    static std::string words(double at_x, double at_y, const std::string& text, const char* css,
                             const char* anchor) {
        return fmt::format("<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>", css,
                           at_x, at_y, anchor, Html(text).markup());
    }
    void text(double at_x, double at_y, const std::string& text, const char* css, const char* anchor) {
        out_ += words(at_x, at_y, text, css, anchor);
    }
    static std::string path(const char* css, const std::string& data) {
        return fmt::format("<path class=\"{}\" d=\"{}\"/>", css, data);
    }
    std::string label() const {
        return fmt::format("time-current chart of {}", harness_.part(curve_.device).name);
    }

    void grid() {
        std::string lines, marks;
        for (const TimeMark& mark : time_marks) {
            lines += fmt::format("M{} {:.1f}H{}", left, y(mark.time_s), right);
            marks += words(left - 6, y(mark.time_s) + 4, mark.text, "c-mark", "end");
        }
        const std::string axes = fmt::format("M{} {}V{}H{}", left, top, bottom, right);
        const std::string times = path("c-grid", lines) + marks + path("c-axis", axes);
        lines.clear(), marks.clear();
        double last = -100;
        for (double decade = least_A_; decade <= most_A_ * 1.0001; decade *= 10)
            for (const double step : {1.0, 2.0, 5.0}) {
                const double current_A = decade * step;
                if (current_A > most_A_) break;
                lines += fmt::format("M{:.1f} {}V{}", x(current_A), top, bottom);
                if (x(current_A) - last < 46) continue;
                last = x(current_A);
                marks += words(last, bottom + 16, to_text(current_A, Dimension::current), "c-mark", "middle");
            }
        out_ += page_.once(path("c-grid", lines) + marks) + page_.once(times);
    }

    // What lies below the bottom of the chart is cut off there.
    std::string points_of(const std::vector<CurvePoint>& points) const {
        std::vector<ChartPoint> drawn;
        drawn.reserve(points.size());
        for (const CurvePoint& point : points) drawn.push_back({x(point.current_A), y(point.time_s)});
        std::string data;
        for (const ChartPoint& point : straightened(drawn))
            data += fmt::format("{}{:.1f} {:.1f}", data.empty() ? "M" : "L", point.x, point.y);
        return data;
    }
    void band() {
        std::string drawn;
        if (!curve_.fast.empty()) {
            std::vector<CurvePoint> round = curve_.fast;
            // Where only the fast edge is drawn already, the slow one lies above the chart.
            round.insert(round.begin(), {curve_.fast.front().current_A, most_s});
            std::vector<CurvePoint> back(curve_.slow.rbegin(), curve_.slow.rend());
            round.insert(round.end(), back.begin(), back.end());
            round.push_back({curve_.slow.front().current_A, most_s});
            drawn = path("c-band", points_of(round) + "Z") + path("c-edge", points_of(curve_.fast));
        }
        out_ += page_.once(drawn + path("c-edge", points_of(curve_.slow)));
    }

    // Labels at the right end keep off each other.
    double free_y(double wanted) {
        double at = wanted;
        for (bool moved = true; moved;) {
            moved = false;
            for (const double taken : taken_)
                if (std::abs(taken - at) < 13) {
                    at = taken - 13.5;
                    moved = true;
                }
        }
        taken_.push_back(at);
        return at;
    }
    void wire_line(const DamageCurve& wire) {
        out_ += page_.once(path(wire.accused ? "c-burns" : "c-burn", points_of(wire.points)));
        const Wire& what = harness_.wire(wire.wire);
        const std::string size = what.size_text.empty() ? to_text(what.area) : std::string(what.size_text);
        const std::string words =
            fmt::format("{}{} {}", what.name, wire.alike > 0 ? fmt::format("+{}", wire.alike) : std::string(),
                        on_paper(size));
        const CurvePoint& end = wire.points.back();
        text(std::min(x(end.current_A) + 5, right + 5), free_y(y(end.time_s) + 4), words,
             wire.accused ? "c-burns-name" : "c-burn-name", "start");
    }

    // A stair: each level reaches as far up as the current is at least that for. The lowest one stays.
    void load() {
        std::vector<LoadStep> steps;
        for (const LoadStep& step : curve_.load)
            if (step.current_A > 1e-3) steps.push_back(step);
        if (steps.empty()) return;
        std::stable_sort(steps.begin(), steps.end(),
                         [](const LoadStep& a, const LoadStep& b) { return a.current_A < b.current_A; });
        std::string data = fmt::format("M{:.1f} {:.1f}", x(steps.front().current_A), top);
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const double end = i + 1 < steps.size() ? reach_y(steps, i + 1) : bottom;
            data += fmt::format("V{:.1f}", end);
            if (i + 1 < steps.size()) data += fmt::format("H{:.1f}", x(steps[i + 1].current_A));
        }
        out_ += path("c-load", data);
        const LoadStep& most = steps.back();
        const std::string words =
            "load " + to_text(most.current_A, Dimension::current) +
            (std::isfinite(most.duration_s) ? " for " + to_text(most.duration_s, Dimension::time)
                                            : std::string());
        text(x(most.current_A) + 6, bottom - 8, words, "c-load-name", "start");
    }
    static double reach_y(const std::vector<LoadStep>& steps, std::size_t first) {
        double lasts_s = 0;
        for (std::size_t i = first; i < steps.size(); ++i) lasts_s += steps[i].duration_s;
        return std::isfinite(lasts_s) ? y(std::clamp(lasts_s, least_s, most_s)) : top;
    }

    void shorts() {
        if (!curve_.least_A || !curve_.most_A) return;
        const double a = x(*curve_.least_A), b = x(*curve_.most_A), at = bottom + 32;
        out_ += path("c-dots", fmt::format("M{:.1f} {}V{}M{:.1f} {}V{}", a, top, at, b, top, at));
        out_ += path("c-bracket", fmt::format("M{:.1f} {}v8m0-4H{:.1f}m0-4v8", a, at - 4, b));
        const bool one =
            to_text(*curve_.least_A, Dimension::current) == to_text(*curve_.most_A, Dimension::current);
        const std::string words =
            "shorts " + (one ? std::string() : to_text(*curve_.least_A, Dimension::current) + " to ") +
            to_text(*curve_.most_A, Dimension::current);
        text(std::clamp((a + b) / 2, left + 60, right - 20), at + 20, words, "c-mark", "middle");
    }

    const DeviceCurve& curve_;
    const Harness& harness_;
    CurveCharts& page_;
    double least_A_ = 1, most_A_ = 10;
    std::vector<double> taken_;
    std::string out_;
};

}  // namespace

std::vector<ChartPoint> straightened(const std::vector<ChartPoint>& points) {
    constexpr double near_enough = 0.05;
    if (points.size() < 3) return points;
    std::vector<bool> stays(points.size(), false);
    stays.front() = stays.back() = true;
    std::vector<std::pair<std::size_t, std::size_t>> open = {{0, points.size() - 1}};
    while (!open.empty()) {
        const auto [first, last] = open.back();
        open.pop_back();
        const ChartPoint a = points[first], b = points[last];
        const double length = std::hypot(b.x - a.x, b.y - a.y);
        double farthest = near_enough;
        std::size_t split = first;
        for (std::size_t i = first + 1; i < last; ++i) {
            const ChartPoint p = points[i];
            const double off = length > 0
                                   ? std::abs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / length
                                   : std::hypot(p.x - a.x, p.y - a.y);
            if (off > farthest) farthest = off, split = i;
        }
        if (split == first) continue;
        stays[split] = true;
        open.push_back({first, split});
        open.push_back({split, last});
    }
    std::vector<ChartPoint> kept;
    for (std::size_t i = 0; i < points.size(); ++i)
        if (stays[i]) kept.push_back(points[i]);
    return kept;
}

std::string CurveCharts::once(std::string piece) {
    constexpr std::size_t worth_it = 80;  // bytes
    if (piece.size() < worth_it) return piece;
    const auto [found, is_new] = pieces_.emplace(std::move(piece), pieces_.size());
    return is_new ? fmt::format("<g id=\"k{}\">{}</g>", found->second, found->first)
                  : fmt::format("<use href=\"#k{}\"/>", found->second);
}

Html CurveCharts::add(const DeviceCurve& curve, const Harness& harness) {
    if (curve.slow.empty()) return {};
    return Html::trusted(Chart(curve, harness, *this).svg());
}

}  // namespace loomward
