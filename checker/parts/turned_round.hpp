// Loads that contacts turn round on purpose: motors that are meant to run both ways.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// By PartId. A load is one if in some mode closed contacts lead its plus to the plus of a source and its
// minus to a minus, and in another one just these two poles lie on it the other way round. What is the wrong
// way round on its own, or by another source (a crossed charging or jump-starting lead), is none; nor is a
// load that holds its power (acts-as power), which only electronics do.
std::vector<bool> turned_round(const Circuit& circuit, const Facts& facts);

}  // namespace loomward
