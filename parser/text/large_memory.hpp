// Memory for the tree and the tables of a large harness. Asking for it page by page, and finding the page of
// each access again, takes a good part of the time; Linux hands out larger pages if told to.
#pragma once
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <new>
#include <vector>

#ifdef __linux__
#include <sys/mman.h>
#endif

namespace loomward {

inline constexpr std::size_t large_page = std::size_t{2} << 20;

// Only advice: where it is not taken, nothing changes but the time.
inline void prefer_large_pages([[maybe_unused]] const void* begin, [[maybe_unused]] std::size_t bytes) {
#ifdef MADV_HUGEPAGE
    if (bytes < 2 * large_page) return;
    const std::uintptr_t first =
        (reinterpret_cast<std::uintptr_t>(begin) + large_page - 1) & ~(large_page - 1);
    const std::uintptr_t last = (reinterpret_cast<std::uintptr_t>(begin) + bytes) & ~(large_page - 1);
    if (first < last) madvise(reinterpret_cast<void*>(first), last - first, MADV_HUGEPAGE);
#endif
}

// For a vector that is filled once from one end to the other. What is reserved and never filled costs
// addresses and no memory.
template <class T>
void reserve_large(std::vector<T>& vector, std::size_t count) {
    if (count <= vector.capacity()) return;
    vector.reserve(count);
    prefer_large_pages(vector.data(), count * sizeof(T));
}

// For a table that is looked into at random: it begins on a large page, so that all of it lies on some.
template <class T>
struct LargeAllocator {
    using value_type = T;
    LargeAllocator() = default;
    template <class U>
    LargeAllocator(const LargeAllocator<U>&) {}

    T* allocate(std::size_t count) {
        const std::size_t bytes = count * sizeof(T);
        if (bytes < large_page) return static_cast<T*>(::operator new(bytes));
        const std::size_t whole = (bytes + large_page - 1) & ~(large_page - 1);
        void* memory = std::aligned_alloc(large_page, whole);
        if (!memory) throw std::bad_alloc();
#ifdef MADV_HUGEPAGE
        madvise(memory, whole, MADV_HUGEPAGE);
#endif
        return static_cast<T*>(memory);
    }
    void deallocate(T* memory, std::size_t count) {
        if (count * sizeof(T) < large_page)
            ::operator delete(memory);
        else
            std::free(memory);
    }
    friend bool operator==(const LargeAllocator&, const LargeAllocator&) {
        return true;
    }
};

}  // namespace loomward
