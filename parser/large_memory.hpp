// Room for vectors that are filled once from one end to the other. For the tree and the tables of a large
// harness the time goes into asking for memory page by page; Linux hands out larger pages if told to.
#pragma once
#include <cstddef>
#include <cstdint>
#include <vector>

#ifdef __linux__
#include <sys/mman.h>
#endif

namespace loomward {

inline void prefer_large_pages([[maybe_unused]] const void* begin, [[maybe_unused]] std::size_t bytes) {
#ifdef MADV_HUGEPAGE
    constexpr std::uintptr_t page = std::uintptr_t{2} << 20;
    if (bytes < 4 * page) return;
    const std::uintptr_t first = (reinterpret_cast<std::uintptr_t>(begin) + page - 1) & ~(page - 1);
    const std::uintptr_t last = (reinterpret_cast<std::uintptr_t>(begin) + bytes) & ~(page - 1);
    // Only advice: where it is not taken, nothing changes but the time.
    if (first < last) madvise(reinterpret_cast<void*>(first), last - first, MADV_HUGEPAGE);
#endif
}

// What is reserved and never filled costs addresses and no memory.
template <class T>
void reserve_large(std::vector<T>& vector, std::size_t count) {
    if (count <= vector.capacity()) return;
    vector.reserve(count);
    prefer_large_pages(vector.data(), count * sizeof(T));
}

}  // namespace loomward
