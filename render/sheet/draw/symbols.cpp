#include "render/sheet/draw/symbols.hpp"

#include <algorithm>

#include "render/sheet/layout/sheet_place.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

constexpr double M = module_mm;
constexpr double thin = 0.25, normal = 0.35, heavy = 0.45;

std::string n(double value) {
    return number(value);
}

// Draws in modules around a middle, mirrored where the symbol is fed from the right.
struct Pen {
    Canvas& canvas;
    double x, y, sign;
    double px(double modules) const { return x + sign * modules * M; }
    double py(double modules) const { return y + modules * M; }
    void line(double x1, double y1, double x2, double y2, double width = normal,
              std::string_view dash = {}) const {
        canvas.line(px(x1), py(y1), px(x2), py(y2), {width, {}, dash});
    }
    void box(double left, double top, double right, double bottom) const {
        canvas.rectangle({std::min(px(left), px(right)), py(top), std::max(px(left), px(right)), py(bottom)},
                         canvas.palette().paper, {normal});
    }
    void circle(double radius) const { canvas.circle(x, y, radius * M, canvas.palette().paper, {normal}); }
    void mark(double left, double top, double right, double bottom) const {
        canvas.mark_symbol(
            {std::min(px(left), px(right)), py(top), std::max(px(left), px(right)), py(bottom)});
    }
};

// A make contact: a blade from the right lead leaning over the left one; closed it lies on it. A break
// contact: the blade rests on a stop that rises from the left lead; open it stands clear of it.
void draw_contact_blade(const Pen& pen, double half, const Shape& shape) {
    pen.line(-half, 0, -1.4, 0);
    pen.line(1.4, 0, half, 0);
    if (shape.breaks) {
        pen.line(-1.4, 0, -1.4, -0.95);
        if (shape.closed)
            pen.line(1.4, 0, -1.75, -1.0, heavy);
        else
            pen.line(1.4, 0, -1.15, -1.4, heavy);
    } else if (shape.closed) {
        pen.line(1.4, 0, -1.4, 0, heavy);
    } else {
        pen.line(1.4, 0, -1.25, -1.25, heavy);
    }
    pen.mark(-1.4, -1.25, 1.4, 0.3);
}

// How high the middle of the blade stands.
double blade_height(const Shape& shape) {
    if (shape.breaks) return shape.closed ? -0.45 : -0.77;
    return shape.closed ? 0 : -0.66;
}

void draw_breaker(const Pen& pen, double half, const Shape& shape) {
    const Shape open;  // with its sign at the fixed contact; at work it is closed
    draw_contact_blade(pen, half, open);
    pen.line(-1.75, -0.35, -1.05, 0.35, normal);
    pen.line(-1.75, 0.35, -1.05, -0.35, normal);
    if (!shape.resets_itself) return;
    // A triangle on the blade: it goes back by itself.
    pen.canvas.path("M" + n(pen.px(-0.1)) + ' ' + n(pen.py(-0.55)) + "L" + n(pen.px(0.55)) + ' ' +
                        n(pen.py(-0.55)) + "L" + n(pen.px(0.22)) + ' ' + n(pen.py(-1.15)) + "Z",
                    {thin}, pen.canvas.palette().ink);
}

// A hand-worked contact says how: by a plain handle, by a push-button, by a key, by being struck.
void draw_switch(const Pen& pen, double half, const Shape& shape) {
    draw_contact_blade(pen, half, shape);
    pen.line(0, blade_height(shape), 0, -1.5, thin, "0.7 0.5");
    switch (shape.actuator) {
        case Actuator::push:
            pen.line(-0.5, -1.5, 0.5, -1.5);
            pen.line(-0.5, -1.5, -0.5, -1.15);
            return pen.line(0.5, -1.5, 0.5, -1.15);
        case Actuator::key:
            pen.canvas.circle(pen.px(0), pen.py(-1.5), 0.32 * M, pen.canvas.palette().paper, {normal});
            return pen.line(0, -1.5, 0.75, -1.5);
        case Actuator::struck: {
            const std::string radius = n(0.6 * M);
            return pen.canvas.path("M" + n(pen.x - 0.6 * M) + ' ' + n(pen.py(-1.35)) + "A" + radius + ' ' +
                                       radius + " 0 0 1 " + n(pen.x + 0.6 * M) + ' ' + n(pen.py(-1.35)) + "Z",
                                   {normal}, pen.canvas.palette().ink);
        }
        case Actuator::hand:
            return pen.line(-0.5, -1.5, 0.5, -1.5);
    }
}

// The half-circle at the fixed contact makes it the contact of a contactor.
void draw_contactor(const Pen& pen, double half, const Shape& shape) {
    draw_contact_blade(pen, half, shape);
    const double radius = 0.4 * M;
    pen.canvas.path("M" + n(pen.px(-1.4)) + ' ' + n(pen.py(0)) + "a" + n(radius) + ' ' + n(radius) + " 0 0 " +
                        (pen.sign > 0 ? "1 " : "0 ") + n(pen.sign * -2 * radius) + " 0",
                    {normal});
}

void draw_boxed(const Pen& pen, double half, double body, double height, bool through) {
    pen.line(-half, 0, -body, 0);
    pen.line(body, 0, half, 0);
    pen.box(-body, -height, body, height);
    if (through) pen.line(-body, 0, body, 0);
    pen.mark(-body, -height, body, height);
}

void draw_round(const Pen& pen, double half, double radius) {
    pen.line(-half, 0, -radius, 0);
    pen.line(radius, 0, half, 0);
    pen.circle(radius);
    pen.mark(-radius, -radius, radius, radius);
}

void draw_diode(const Pen& pen, double half) {
    pen.line(-half, 0, half, 0);
    pen.canvas.path("M" + n(pen.px(-1)) + ' ' + n(pen.py(-1)) + "V" + n(pen.py(1)) + "L" + n(pen.px(1)) +
                        ' ' + n(pen.py(0)) + "Z",
                    {normal}, pen.canvas.palette().paper);
    pen.line(1, -1, 1, 1, heavy);
    pen.mark(-1, -1, 1, 1);
}

void draw_capacitor(const Pen& pen, double half, const Shape& shape) {
    if (shape.plus_first) {
        pen.line(-0.95, -0.75, -0.95, -0.25, thin);
        pen.line(-1.2, -0.5, -0.7, -0.5, thin);
    }
    pen.line(-half, 0, -0.35, 0);
    pen.line(0.35, 0, half, 0);
    pen.line(-0.35, -1.2, -0.35, 1.2, heavy);
    pen.line(0.35, -1.2, 0.35, 1.2, heavy);
    pen.mark(-0.5, -1.2, 0.5, 1.2);
}

// The half with the sockets, and the pin that enters it.
void draw_mated(const Pen& fed, double half, const Shape& shape) {
    const Pen pen{fed.canvas, fed.x, fed.y, shape.pin_first ? -fed.sign : fed.sign};
    pen.line(-half, 0, -0.95, 0);
    const double radius = 0.9 * M;
    pen.canvas.path("M" + n(pen.px(-0.05)) + ' ' + n(pen.py(-0.9)) + "A" + n(radius) + ' ' + n(radius) +
                        " 0 0 " + (pen.sign > 0 ? "0 " : "1 ") + n(pen.px(-0.05)) + ' ' + n(pen.py(0.9)),
                    {0.4});
    const double a = pen.px(-0.6), b = pen.px(1.3);
    pen.canvas.rectangle({std::min(a, b), pen.py(-0.3), std::max(a, b), pen.py(0.3)},
                         pen.canvas.palette().ink, {0}, 0.12);
    pen.line(1.2, 0, half, 0);
    pen.mark(-0.95, -0.9, 1.3, 0.9);
}

// A direct current sign: a line over a broken one; an alternating one: a wave.
void draw_sign(Canvas& canvas, double x, double y, char kind) {
    if (kind == 'd') {
        canvas.line(x - 1.1, y - 0.5, x + 1.1, y - 0.5, {0.3});
        canvas.line(x - 1.1, y + 0.5, x + 1.1, y + 0.5, {0.3, {}, "0.55 0.28"});
        return;
    }
    if (kind == '3') canvas.text(x - 1.5, y + 0.8, "3", 2.1, true, Anchor::middle);
    canvas.path("M" + n(x - (kind == '3' ? 0.7 : 1.2)) + ' ' + n(y) + "q.6 -1.2 1.2 0t1.2 0", {0.3});
}

}  // namespace

void draw_symbol(Canvas& canvas, Symbol symbol, const Shape& shape, double x, double y, bool flipped) {
    const Pen pen{canvas, x, y, flipped ? -1.0 : 1.0};
    const double half = body_size(symbol).length / M / 2;
    switch (symbol) {
        case Symbol::fuse:
            return draw_boxed(pen, half, 2, 0.75, true);
        case Symbol::resistor:
            return draw_boxed(pen, half, 2.25, 0.75, false);
        case Symbol::shunt:
            draw_boxed(pen, half, 2.25, 0.75, false);
            pen.line(-1.6, 0.75, -1.6, 1.2, thin);
            return pen.line(1.6, 0.75, 1.6, 1.2, thin);
        case Symbol::breaker:
            return draw_breaker(pen, half, shape);
        case Symbol::switch_:
            return draw_switch(pen, half, shape);
        case Symbol::contactor:
            return draw_contactor(pen, half, shape);
        case Symbol::relay:
            return draw_contact_blade(pen, half, shape);
        case Symbol::diode:
            return draw_diode(pen, half);
        case Symbol::capacitor:
            return draw_capacitor(pen, half, shape);
        case Symbol::contact:
            return draw_mated(pen, half, shape);
        case Symbol::lamp: {
            draw_round(pen, half, 1.1);
            const double q = 1.1 * 0.707;
            pen.line(-q, -q, q, q);
            return pen.line(-q, q, q, -q);
        }
        case Symbol::motor_two:
            draw_round(pen, half, 1.35);
            canvas.text(x, y + 0.55, "M", 2.4, true, Anchor::middle);
            return canvas.line(x - 0.9, y + 1.25, x + 0.9, y + 1.25, {normal});
        default:
            draw_boxed(pen, half, 1.5, 1.05, false);
    }
}

void draw_coil(Canvas& canvas, const Shape& shape, double x, double y, double length, double contact_y) {
    const Pen pen{canvas, x, y, 1};
    const double half = length / M / 2;
    pen.line(-half, 0, -1.4, 0);
    pen.line(1.4, 0, half, 0);
    const double blade = contact_y + blade_height(shape) * M;
    canvas.line(x, blade, x, y > contact_y ? y - 1.2 * M : y + 1.2 * M, {thin, {}, "0.7 0.5"});
    pen.box(-1.4, -1.2, 1.4, 1.2);
    pen.mark(-1.4, -1.2, 1.4, 1.2);
}

void draw_square(Canvas& canvas, Symbol symbol, const Shape& shape, double x, double y) {
    if (symbol == Symbol::motor) {
        canvas.circle(x, y + 4, 4, canvas.palette().paper, {normal});
        canvas.text(x, y + 4, "M", 2.8, true, Anchor::middle);
        return draw_sign(canvas, x + 0.3, y + 5.8, '3');
    }
    canvas.rectangle({x - 4, y, x + 4, y + 8}, canvas.palette().paper, {normal});
    canvas.line(x - 4, y + 8, x + 4, y, {0.3});
    draw_sign(canvas, x - 1.6, y + 2.2, symbol == Symbol::charger ? 'a' : 'd');
    const char lower = symbol == Symbol::controller && shape.phases ? '3'
                       : symbol == Symbol::inverter                 ? 'a'
                                                                    : 'd';
    draw_sign(canvas, x + 1.5, y + 6.0, lower);
}

// At rest the blade lies at the contact that opens; the dashed link leads down to the coil.
void draw_change_over(Canvas& canvas, const ChangeOver& shown, double x, double y) {
    const double rest = y + 1.4, work = y + 4.8, middle = (rest + work) / 2, pivot = x - 2.2, fixed = x + 1.6;
    canvas.line(x - 4, middle, pivot, middle, {normal});
    canvas.line(fixed, rest, x + 4, rest, {normal});
    canvas.line(fixed, work, x + 4, work, {normal});
    // Fixed contacts reach toward each other, the blade passes their tips.
    canvas.line(fixed, rest, fixed, rest + 0.7, {normal});
    canvas.line(fixed, work, fixed, work - 0.7, {normal});
    canvas.line(pivot, middle, fixed + 0.5, shown.worked ? work - 0.7 : rest + 0.7, {normal});
    const double blade = (middle + (shown.worked ? work - 0.7 : rest + 0.7)) / 2;
    canvas.line(x, blade, x, y + 6.4, {thin, {}, "0.7 0.5"});
    canvas.rectangle({x - 1.8, y + 6.4, x + 1.8, y + 8.4}, canvas.palette().paper, {normal});
    const std::string_view soft = canvas.palette().soft;
    canvas.text(x - 4.4, middle + 0.7, shown.common, small_size, false, Anchor::end, soft);
    canvas.text(x + 4.4, rest + 0.7, shown.at_rest, small_size, false, Anchor::start, soft);
    canvas.text(x + 4.4, work + 0.7, shown.at_work, small_size, false, Anchor::start, soft);
}

void draw_cells(Canvas& canvas, double x, double top, double bottom, double edge_x) {
    const double middle = (top + bottom) / 2;
    canvas.line(x, top, edge_x, top, {normal});
    canvas.line(x, bottom, edge_x, bottom, {normal});
    canvas.line(x, top, x, middle - 2.5, {normal});
    canvas.line(x, bottom, x, middle + 2.5, {normal});
    for (const double at : {-2.5, 1.3}) {  // the long thin line is the positive pole
        canvas.line(x - 3, middle + at, x + 3, middle + at, {normal});
        canvas.line(x - 1.5, middle + at + 1.2, x + 1.5, middle + at + 1.2, {0.8});
    }
    canvas.line(x, middle - 1.3, x, middle + 1.3, {0.3, {}, "0.6 0.4"});
}

void draw_frame(Canvas& canvas, double x, double y) {
    canvas.line(x, y, x, y + 2.2, {normal});
    canvas.line(x - 2.2, y + 2.2, x + 2.2, y + 2.2, {heavy});
    for (const double at : {-1.8, 0.0, 1.8}) canvas.line(x + at, y + 2.2, x + at - 1.1, y + 3.6, {0.3});
    canvas.mark_symbol({x - 2.9, y, x + 2.2, y + 3.6});
}

void draw_flag(Canvas& canvas, double x, double base, const Flag& flag) {
    const Palette& palette = canvas.palette();
    const std::string digits = std::to_string(flag.number);
    constexpr double height = 2.9;
    const double body = flag_advance(flag.number) - 2, size = digits.size() < 2 ? 2.3 : 2.0;
    const double top = base - 0.83 - height / 2;  // round the middle of capital letters on the base line
    const std::string slope = n(height / 2);
    const std::string shape =
        "M" + n(x) + ' ' + n(top) + "h" + n(body) + "l1.2 " + slope + "l-1.2 " + slope + "h" + n(-body) + "z";
    std::string_view ink = palette.ink;
    if (flag.accepted) {
        canvas.path(shape, {0.3, {}, "0.7 0.5"}, palette.paper);
    } else if (flag.severity == Severity::error) {
        canvas.path(shape, {0.25, palette.error}, palette.error);
        ink = palette.error_ink;
    } else if (flag.severity == Severity::warning) {
        canvas.path(shape, {0.3, "#1c2024"}, palette.warning);
        ink = "#1c2024";
    } else {
        canvas.path(shape, {0.3}, palette.paper);
    }
    canvas.text(x + body / 2 + 0.25, top + height / 2 + size * 0.36, digits, size, true, Anchor::middle, ink);
    canvas.mark_flag({x - 0.15, top - 0.15, x + body + 1.35, top + height + 0.15});
}

void draw_flags(Canvas& canvas, double x, double base, const std::vector<Flag>& flags) {
    for (std::size_t i = 0; i < std::min(flags.size(), flags_shown); ++i) {
        draw_flag(canvas, x, base, flags[i]);
        x += flag_advance(flags[i].number);
    }
    if (flags.size() > flags_shown)
        canvas.text(x, base, "+" + std::to_string(flags.size() - flags_shown), small_size, true);
}

void draw_gauge(Canvas& canvas, double x, double y, double width, double loading) {
    const Palette& palette = canvas.palette();
    const double limit = width * 0.8, height = 0.9;
    const double filled = std::clamp(loading, 0.0, 1.24) * limit;
    canvas.rectangle({x, y, x + width, y + height}, palette.paper, {0.18});
    canvas.rectangle({x + 0.12, y + 0.2, x + std::max(0.2, filled - 0.12), y + height - 0.2},
                     loading > 1.0005 ? palette.error : palette.soft, {0});
    canvas.line(x + limit, y - 0.35, x + limit, y + height + 0.35, {0.3});
}

void draw_arrow(Canvas& canvas, double x, double y, double wire_mm) {
    const double half = std::max(0.75, wire_mm / 2 + 0.55);
    canvas.path("M" + n(x) + ' ' + n(y) + "l2.1 " + n(-half) + "v" + n(2 * half) + "z", {0.3},
                canvas.palette().paper);
}

}  // namespace loomward::sheet
