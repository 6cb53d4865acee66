#include "render/papers/run_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "parser/language/quantity.hpp"
#include "render/html/html_parts.hpp"
#include "render/papers/curve_chart.hpp"

namespace loomward {
namespace {

constexpr double chart_width = 600, panel_left = 64, panel_right = 430, panel_height = 118, gap = 26,
                 chart_top = 18, foot = 26;
constexpr std::size_t most_lines = 6;  // in a panel: more cannot be told apart

struct Trace {
    std::vector<double> values;  // by row; not a number: nothing there
    std::string name;            // empty: it has none
    bool strange = false, limit = false;
};
struct Panel {
    std::string title;
    std::vector<Trace> lines;
    double least = 0, most = 0;
    std::string marks;  // drawn on top
};

// The smallest of 1, 2, 5, 10 ... times a power of ten that cuts `length` into at most `pieces`.
double even_step(double length, double pieces) {
    const double power = std::pow(10, std::floor(std::log10(length / pieces)));
    for (const double step : {1.0, 2.0, 5.0})
        if (length / (power * step) <= pieces) return power * step;
    return power * 10;
}

double time_step(double lasts_s) {
    constexpr std::array steps = {60.0,   120.0,  300.0,   600.0,   1200.0, 1800.0,
                                  3600.0, 7200.0, 14400.0, 21600.0, 43200.0};
    constexpr double pieces = 6;
    if (lasts_s / pieces <= 30) return even_step(lasts_s, pieces);
    for (const double step : steps)
        if (lasts_s / step <= pieces) return step;
    return 86400 * std::ceil(lasts_s / pieces / 86400);
}

class RunChart {
  public:
    explicit RunChart(const ComparedRun& run) : run_(run), time_s_(run.log.time_s()) {}

    std::string svg() {
        for (Panel panel : {currents(), lost_volts(), heat()}) {
            if (panel.lines.empty()) continue;
            draw(panel);
            at_ += panel_height + gap;
        }
        if (out_.empty()) return {};
        times();
        return fmt::format(
            "<svg class=\"chart\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">{}</svg>", chart_width,
            at_ - gap + foot, Html("log " + run_.path + " over time").markup(), out_);
    }

  private:
    std::string name(std::size_t column) const {
        const LogColumn& of = run_.log.columns[column];
        return of.second.empty() ? of.first : of.first + " to " + of.second;
    }
    std::vector<double> sizes(std::size_t column) const {
        std::vector<double> values = run_.log.columns[column].values;
        for (double& each : values) each = std::abs(each);
        return values;
    }
    std::vector<double> flat(double value) const { return std::vector<double>(time_s_.size(), value); }

    Panel currents() const {
        Panel panel{"A", {}, 0, 0, {}};
        for (const RunCurrent& each : run_.report.currents) {
            const bool strange = each.held_down || each.above;
            panel.lines.push_back({sizes(each.column), name(each.column), strange, false});
            if (strange)
                panel.lines.push_back({flat(each.asked_A), "asked: " + name(each.column), false, true});
        }
        return panel;
    }
    Panel lost_volts() const {
        Panel panel{"V lost", {}, 0, 0, {}};
        for (const LostVolts& each : run_.report.volts) {
            std::vector<double> lost = run_.log.columns[each.columns.front()].values;
            std::string between = name(each.columns.front());
            if (each.columns.size() > 1) {
                const LogColumn& other = run_.log.columns[each.columns[1]];
                for (std::size_t i = 0; i < lost.size(); ++i) lost[i] -= other.values[i];
                between = run_.log.columns[each.columns.front()].first + " to " + other.first + ", back";
            }
            for (double& volts : lost) volts = std::abs(volts);
            const bool strange = each.verdict != LostVolts::Verdict::as_expected;
            panel.lines.push_back({std::move(lost), between, strange, false});
            if (!strange) continue;
            const bool high = each.verdict == LostVolts::Verdict::high;
            std::vector<double> explained = sizes(each.amps);
            for (double& volts : explained) volts *= high ? each.expected_most_ohm : each.expected_least_ohm;
            panel.lines.push_back(
                {std::move(explained), high ? "at most, by the file" : "at least, by the file", false, true});
        }
        return panel;
    }
    Panel heat() const {
        Panel panel{"°C", {}, 0, 0, {}};
        for (const RunHeat& each : run_.report.heat) {
            panel.lines.push_back(
                {run_.log.columns[each.column].values, name(each.column), each.early, false});
            if (each.early)
                panel.lines.push_back({flat(each.expected_degC), "at most, explained", false, true});
        }
        return panel;
    }

    double x(double time_s) const {
        return panel_left +
               (time_s - time_s_.front()) / (time_s_.back() - time_s_.front()) * (panel_right - panel_left);
    }
    double y(const Panel& panel, double value) const {
        return at_ + panel_height - (value - panel.least) / (panel.most - panel.least) * panel_height;
    }
    static std::string text(double at_x, double at_y, const std::string& words, const char* css,
                            const char* anchor) {
        return fmt::format("<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>", css,
                           at_x, at_y, anchor, Html(words).markup());
    }
    static std::string path(const char* css, const std::string& data) {
        return fmt::format("<path class=\"{}\" d=\"{}\"/>", css, data);
    }

    void draw(Panel& panel) {
        // What is not as expected, with its limit, is never among those left out.
        std::stable_sort(panel.lines.begin(), panel.lines.end(), [](const Trace& a, const Trace& b) {
            return (a.strange || a.limit) > (b.strange || b.limit);
        });
        if (panel.lines.size() > most_lines) panel.lines.resize(most_lines);
        scale(panel);
        labels_.clear();
        for (auto line = panel.lines.rbegin(); line != panel.lines.rend(); ++line) draw_line(panel, *line);
    }

    // Even figures at both ends, with nothing in between cut off.
    void scale(Panel& panel) {
        bool any = false;
        for (const Trace& line : panel.lines)
            for (const double each : line.values) {
                if (std::isnan(each)) continue;
                panel.least = any ? std::min(panel.least, each) : each;
                panel.most = any ? std::max(panel.most, each) : each;
                any = true;
            }
        if (panel.title != "°C") panel.least = std::min(0.0, panel.least);
        if (!(panel.most - panel.least > 1e-9)) panel.most = panel.least + 1;
        const double step = even_step(panel.most - panel.least, 4);
        panel.least = std::floor(panel.least / step + 1e-9) * step;
        panel.most = std::ceil(panel.most / step - 1e-9) * step;
        std::string lines;
        for (double mark = panel.least; mark <= panel.most + step / 2; mark += step) {
            lines += fmt::format("M{} {:.1f}H{}", panel_left, y(panel, mark), panel_right);
            const double shown = std::abs(mark) < step / 2 ? 0 : mark;
            out_ += text(panel_left - 6, y(panel, mark) + 4, fmt::format("{:.4g}", shown), "c-mark", "end");
        }
        out_ += path("c-grid", lines);
        out_ += text(panel_left, at_ - 6, panel.title, "c-mark", "start");
    }

    // First, least, most and last of each unit of width, in the order of time.
    std::vector<std::vector<ChartPoint>> stretches(const Panel& panel, const Trace& line) const {
        std::vector<std::vector<ChartPoint>> all(1);
        std::vector<std::size_t> rows;
        const auto put = [&] {
            if (rows.empty()) return;
            const auto [least, most] = std::minmax_element(
                rows.begin(), rows.end(),
                [&](std::size_t a, std::size_t b) { return line.values[a] < line.values[b]; });
            std::array<std::size_t, 4> kept = {rows.front(), *least, *most, rows.back()};
            std::sort(kept.begin(), kept.end());
            for (const std::size_t* row = kept.begin(); row != std::unique(kept.begin(), kept.end()); ++row)
                all.back().push_back({x(time_s_[*row]), y(panel, line.values[*row])});
            rows.clear();
        };
        for (std::size_t row = 0; row < time_s_.size(); ++row) {
            if (std::isnan(line.values[row])) {
                put();
                if (!all.back().empty()) all.emplace_back();
                continue;
            }
            if (!rows.empty() && std::floor(x(time_s_[rows.front()])) != std::floor(x(time_s_[row]))) put();
            rows.push_back(row);
        }
        put();
        return all;
    }

    void draw_line(const Panel& panel, const Trace& line) {
        std::string data;
        double end_y = at_;
        for (const std::vector<ChartPoint>& stretch : stretches(panel, line)) {
            if (stretch.empty()) continue;
            bool first = true;
            for (const ChartPoint& point : straightened(stretch)) {
                data += fmt::format("{}{:.1f} {:.1f}", first ? 'M' : 'L', point.x, point.y);
                first = false;
            }
            // One row alone is a dot.
            if (stretch.size() == 1) data += "h.1";
            end_y = stretch.back().y;
        }
        if (data.empty()) return;
        out_ += path(line.limit ? "c-limit" : line.strange ? "c-strange" : "c-edge", data);
        const char* css = line.strange ? "c-burns-name" : line.limit ? "c-load-name" : "c-mark";
        out_ += text(panel_right + 6, free_y(end_y + 4), line.name, css, "start");
    }

    // Names keep off each other: the nearest free place, above or below.
    double free_y(double wanted) {
        constexpr double apart = 13;
        const auto taken = [&](double at) {
            return std::any_of(labels_.begin(), labels_.end(),
                               [&](double other) { return std::abs(other - at) < apart; });
        };
        double at = wanted;
        for (int i = 1; taken(at) && i < 100; ++i) at = wanted + (i % 2 == 0 ? 1 : -1) * ((i + 1) / 2) * 2.0;
        labels_.push_back(at);
        return at;
    }

    void times() {
        const double bottom = at_ - gap, lasts_s = time_s_.back() - time_s_.front(),
                     step = time_step(lasts_s);
        std::string lines;
        for (double mark = 0; mark <= lasts_s * (1 + 1e-9); mark += step) {
            const double at_x = x(time_s_.front() + mark);
            lines += fmt::format("M{:.1f} {}V{}", at_x, chart_top, bottom);
            out_ += text(at_x, bottom + 16, to_text(mark, Dimension::time), "c-mark", "middle");
        }
        out_ = path("c-grid", lines) + out_;
    }

    const ComparedRun& run_;
    const std::vector<double>& time_s_;
    double at_ = chart_top;
    std::vector<double> labels_;
    std::string out_;
};

}  // namespace

Html run_chart(const ComparedRun& run) {
    return Html::trusted(RunChart(run).svg());
}

}  // namespace loomward
