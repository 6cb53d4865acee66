// Work in parts that have nothing to do with each other, on as many threads as the machine has.
#pragma once
#include <cstddef>
#include <functional>

namespace loomward {

// Calls `part(i)` once for each i below `count`, in any order and several at the same time; returns when all
// are done. So each part writes only to a place of its own, and whoever called puts them together in the
// order of i: then nothing depends on the number of threads. What is thrown by the part with the lowest
// number is thrown on. Parts that call this themselves get no threads beyond those that are at work.
void at_once(std::size_t count, const std::function<void(std::size_t)>& part);

}  // namespace loomward
