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
    std::size_t find(std::size_t item) {
        while (parent_[item] != item) {
            parent_[item] = parent_[parent_[item]];
            item = parent_[item];
        }
        return item;
    }
    void join(std::size_t a, std::size_t b) {
        a = find(a);
        b = find(b);
        if (a == b) return;
        if (size_[a] < size_[b]) std::swap(a, b);
        parent_[b] = static_cast<std::uint32_t>(a);
        size_[a] += size_[b];
    }
    bool same(std::size_t a, std::size_t b) { return find(a) == find(b); }

  private:
    std::vector<std::uint32_t> parent_;
    std::vector<std::uint32_t> size_;
};

}  // namespace loomward
