"""What all tests share: numpy's linear algebra keeps to one thread, as the program itself does (`wiring.one_thread_for_small_matrices`)."""

from skeinwright.wiring import one_thread_for_small_matrices, wait_without_burning

one_thread_for_small_matrices()
wait_without_burning()
