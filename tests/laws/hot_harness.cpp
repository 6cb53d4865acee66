#include "tests/laws/hot_harness.hpp"

#include <fmt/format.h>

#include <cmath>

#include "tests/checker/random_network.hpp"

namespace laws {
namespace {

using loomward::test::Dice;

class Heater {
  public:
    Heater(RandomHarness made, std::uint64_t seed)
        : made_(std::move(made)), dice_(seed * 104729U + 11U), lid_(seed * 7907U + 5U) {}

    RandomHarness heat() {
        for (std::string& part : made_.parts) say(part);
        made_.parts.insert(made_.parts.begin(), location());
        if (lid_.chance(0.3)) put_on_a_lid(made_.parts.front());
        if (lid_.chance(0.2))
            made_.head.insert(made_.head.find("ambient "),
                              fmt::format("altitude {} m, ", 500 * (1 + lid_.below(8))));
        return std::move(made_);
    }

  private:
    double about(double from, double to) { return std::round(dice_.between(from, to) * 100) / 100; }

    std::string location() {
        std::string text = "location stove { ambient 5..35 degC";
        switch (dice_.below(3)) {
            case 0:
                text += fmt::format(", thermal-resistance {} K/W", about(0.2, 2));
                break;
            case 1:
                text += fmt::format(", size {} mm x {} mm x {} mm, wall {}", 150 + dice_.below(300),
                                    100 + dice_.below(200), 80 + dice_.below(150),
                                    dice_.chance(0.5) ? "painted" : "plastic");
                if (dice_.chance(0.5)) text += fmt::format(", vents {} cm2 60 mm", 4 + dice_.below(40));
                break;
            default:
                text += ", size 300 mm x 200 mm x 120 mm";
        }
        if (dice_.chance(0.4)) text += fmt::format(", time-constant {} min", 2 + dice_.below(30));
        return text + fmt::format(", highest-ambient {} degC }}", 45 + dice_.below(30));
    }

    // Two states, and modes of which two in three say one of them.
    void put_on_a_lid(std::string& location) {
        const bool sized = location.find(", size ") != std::string::npos;
        add(location, sized ? fmt::format(", state open {} cm2 60 mm, state shut", 4 + lid_.below(60))
                            : fmt::format(", state open {:.1f} K/W, state shut", lid_.between(0.1, 0.5)));
        for (std::string& mode : made_.modes)
            if (lid_.chance(0.66))
                mode.insert(mode.rfind(" }"), lid_.chance(0.5) ? ", stove at open" : ", stove at shut");
    }

    static bool is(const std::string& part, std::string_view kind) {
        return part.starts_with(std::string(kind) + " ");
    }
    void add(std::string& part, const std::string& words) { part.insert(part.rfind(" }"), words); }

    // How the heat of a body leaves it, and what it does in the heat.
    void say_body(std::string& part) {
        switch (dice_.below(4)) {
            case 0:
                add(part, fmt::format(", thermal-resistance {} K/W", about(0.3, 3)));
                break;
            case 1:
                add(part, fmt::format(", rise {} K at {} A after {} min", 5 + dice_.below(50),
                                      3 + dice_.below(40), 5 + dice_.below(60)));
                break;
            case 2:
                add(part, fmt::format(", size 150 mm x 80 mm x 40 mm, wall painted, mounting {}",
                                      dice_.chance(0.5) ? "bedded" : "stood-off"));
                break;
            default:
                add(part, ", size 150 mm x 80 mm x 40 mm");
        }
        if (dice_.chance(0.4)) add(part, fmt::format(", time-constant {} s", 20 + dice_.below(600)));
        if (dice_.chance(0.7)) add(part, fmt::format(", losses {} W", 5 + dice_.below(60)));
        if (dice_.chance(0.6)) add(part, fmt::format(", gives-less-from {} degC", 50 + dice_.below(40)));
        add(part, fmt::format(", cuts-out-at {} degC", 55 + dice_.below(60)));
    }

    void say(std::string& part) {
        const bool electronics = is(part, "controller") || is(part, "converter") || is(part, "charger");
        if (electronics) say_body(part);
        if (is(part, "pack")) {
            add(part, fmt::format(", mass {} kg, thermal-resistance {} K/W, cuts-out-at {} degC",
                                  4 + dice_.below(10), about(0.2, 4), 45 + dice_.below(20)));
            if (dice_.chance(0.5))
                add(part,
                    fmt::format(", charge-at {} degC 20 A, charge-at 60 degC 0 A", 36 + dice_.below(15)));
        }
        if (is(part, "bundle") && dice_.chance(0.6)) add(part, ", at stove");
        if ((electronics || is(part, "load") || is(part, "fuse") || is(part, "connector")) &&
            dice_.chance(0.5))
            add(part, ", at stove");
    }

    RandomHarness made_;
    Dice dice_;
    Dice lid_;  // of its own, so that all else is as it would be without
};

}  // namespace

RandomHarness hot_harness(std::uint64_t seed) {
    return Heater(random_harness(seed), seed).heat();
}

}  // namespace laws
