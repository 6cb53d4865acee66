// Sets that are only ever joined: union by size, path halving. Near linear, no recursion.
#pragma once
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <utility>
#include <vector>

namespace loomward {

class DisjointSets {
  public:
    explicit DisjointSets(std::size_t count) : parent_(count), size_(count, 1) {
        std::iota(parent_.begin(), parent_.end(), 0U);
    }
    // All apart again, in the memory that there is.
    void reset(std::size_t count) {
        parent_.resize(count);
        std::iota(parent_.begin(), parent_.end(), 0U);
        size_.assign(count, 1);
    }
    std::size_t find(std::size_t item) {
        while (parent_[item] != item) {
            parent_[item] = parent_[parent_[item]];
            item = parent_[item];
        }
        return item;
    }
    // Says whether they were apart.
    bool join(std::size_t a, std::size_t b) {
        a = find(a);
        b = find(b);
        if (a == b) return false;
        if (size_[a] < size_[b]) std::swap(a, b);
        parent_[b] = static_cast<std::uint32_t>(a);
        size_[a] += size_[b];
        return true;
    }
    bool same(std::size_t a, std::size_t b) { return find(a) == find(b); }

  private:
    std::vector<std::uint32_t> parent_;
    std::vector<std::uint32_t> size_;
};

}  // namespace loomward
