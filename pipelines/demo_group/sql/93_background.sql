-- Light faults for large drops.
select 1;
