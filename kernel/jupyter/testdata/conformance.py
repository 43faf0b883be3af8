"""Runs jupyter_kernel_test on a kernel.

The kernel and the samples of its language come as JSON in the environment
variable KERNEL_SAMPLES. The last line printed says how many tests ran, were
skipped and failed.
"""
import json
import os
import sys
import unittest

import jupyter_kernel_test


class KernelTest(jupyter_kernel_test.KernelTests):
    pass


for name, value in json.loads(os.environ["KERNEL_SAMPLES"]).items():
    setattr(KernelTest, name, value)

suite = unittest.defaultTestLoader.loadTestsFromTestCase(KernelTest)
result = unittest.TextTestRunner(stream=sys.stdout, verbosity=2).run(suite)
print(f"ran {result.testsRun}, skipped {len(result.skipped)}, failed {len(result.errors) + len(result.failures)}")
sys.exit(not result.wasSuccessful())
