// For each row of the table of ratings a harness in which one figure decides: a thousandth inside its limit
// nothing may be said, a thousandth outside the rule has to name the part.
#pragma once
#include <string>
#include <vector>

#include "checker/parts/ratings.hpp"

namespace planted {

struct Limit {
    loomward::Kind kind{};
    loomward::Attr attribute{};
    std::string rule;
    std::string subject;
    std::string add;  // statements added to the bench; '@' is the figure
    std::string
        from;  // of the bench, and what stands there instead (may hold '@'); empty: nothing is changed
    std::string to;
    std::string inside;   // '@' where nothing may be said
    std::string outside;  // '@' where the rule has to speak
};

// Twelve lines that a limit hangs on: a pack, its fuse, two bars.
std::string limit_bench();
// The text with the figure in its place.
std::string with_figure(const Limit& limit, const std::string& figure);

std::vector<Limit> source_limits();
std::vector<Limit> contact_limits();
std::vector<Limit> wiring_limits();
std::vector<Limit> load_limits();
std::vector<Limit> heat_limits();

}  // namespace planted
