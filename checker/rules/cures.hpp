// Figures that would pass, for Finding::cures: how they are made, and how those of several findings about one
// rating are brought together. Of what a part says as a range (input, works, takes) at least is about its
// upper end and at most about its lower.
#pragma once
#include <functional>
#include <vector>

#include "checker/rules/finding.hpp"

namespace loomward {

// At a part: "discharge of B1, at least 75 A". `value` in the base unit of the dimension, above 0.
Cure at_least(const Harness& harness, PartId part, Attr what, double value, Dimension dimension);
Cure at_most(const Harness& harness, PartId part, Attr what, double value, Dimension dimension);
// At a contact or pin with a line of its own.
Cure at_least(const Harness& harness, TerminalId at, Attr what, double value, Dimension dimension);
// At a wire: its size in mm2 of one conductor, or its length in m.
Cure at_least(const Harness& harness, WireId wire, Attr what, double value, Dimension dimension);
Cure at_most(const Harness& harness, WireId wire, Attr what, double value, Dimension dimension);
// The same figure as another way to pass.
Cure or_else(Cure cure, std::uint8_t way = 1);

// The least rating that passes, where what is asked of a rating depends on the rating (how quickly a part
// warms up follows from what it is rated). `asked` gives what a part of that rating would have to be rated;
// it is never above the largest current that flows, so this ends.
double least_that_passes(double first, const std::function<double(double)>& asked);

// What `other` asks for becomes what the finding of the same rule and subject asks for, where it is more.
void ask_more(std::vector<Finding>& findings, const Finding& other);

// Figures for the same rating of the same thing become the one that passes all that look at it: the largest
// of those at least, the smallest of those at most; help that printed another says this one.
void bring_together(std::vector<Finding>& findings);

}  // namespace loomward
